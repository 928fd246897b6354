/**
 * A colour belongs to a station, never to a state and never to urgency. The palette is Okabe and Ito's for every
 * kind of colour vision (Color Universal Design, 2008), in the order of the kitchen's stations.
 */

import type { StationName } from '../wire/messages';

export interface Colour {
  fill: string;
  /** Ink that reads on the fill at 4.5:1 or better. */
  ink: string;
}

const DARK = '#101216';
const LIGHT = '#ffffff';

const PALETTE: readonly Colour[] = [
  { fill: '#CC79A7', ink: DARK }, // reddish purple
  { fill: '#56B4E9', ink: DARK }, // sky blue
  { fill: '#E69F00', ink: DARK }, // orange
  { fill: '#009E73', ink: DARK }, // bluish green
  { fill: '#F0E442', ink: DARK }, // yellow
  { fill: '#D55E00', ink: DARK }, // vermillion
  { fill: '#0072B2', ink: LIGHT }, // blue
];

/** The colour of a station by its place among the kitchen's; from the eighth on they begin again. */
export function colourOf(station: string, stations: readonly StationName[]): Colour {
  const place = stations.findIndex((known) => known.id === station);
  return PALETTE[Math.max(0, place) % PALETTE.length] as Colour;
}
