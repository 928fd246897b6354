// @vitest-environment happy-dom
import { expect, test } from 'vitest';
import { routeOf } from '../src/app/routes';

test('an address is a screen, and a station page knows its station', () => {
  expect(routeOf('/')).toEqual({ screen: 'front' });
  expect(routeOf('/pass')).toEqual({ screen: 'pass' });
  expect(routeOf('/order/')).toEqual({ screen: 'order' });
  expect(routeOf('/station/fry')).toEqual({ screen: 'station', station: 'fry' });
});

test('an address that is no screen is the front page', () => {
  expect(routeOf('/station')).toEqual({ screen: 'front' });
  expect(routeOf('/nothing/here')).toEqual({ screen: 'front' });
});
