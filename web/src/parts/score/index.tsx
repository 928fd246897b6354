export { Score, type ScoreProps } from './score';
