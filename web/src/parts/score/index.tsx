export { lineCount } from './lanes';
export { Score, type ScoreProps } from './score';
