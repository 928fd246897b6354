/** The front page. */
export const front = {
  'front.title': 'Kitchen Timer',
  'front.what': 'Every part of a table reaches the pass together.',
  'front.screens': 'Screens',
  'front.stations': 'Stations',
  'front.pass': 'Pass',
  'front.pass_says': 'For the big display: what lands when, what waits for what.',
  'front.order': 'Take an order',
  'front.order_says': 'For the chef’s tablet: the landing it would get, before it is taken.',
  'front.station_says': 'Scan with the phone that stands at this station.',
  'front.qr_of': 'QR code: {address}',
  'front.demo':
    'A demonstration: the place, the people and their tables are invented. Where no phone has joined a station, an invented cook there taps.',
  'front.demo_speed': 'Its clock runs {speed} times as fast.',
  'front.this_machine': 'Only this machine can open these pages. Start with --lan to let phones in.',
  'front.lan': 'Open to the kitchen’s network: until joining is protected, anyone there can use it.',
  'front.cautions': 'Before service',
  'front.cautions_says':
    'The chef decides. Your food-safety plan, local code and trained people come before this timer.',
  'front.loading': 'Asking the kitchen …',
} as const;
