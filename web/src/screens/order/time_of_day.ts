/** Times of day before five belong to the night after the service's date. */
const NIGHT_ENDS_H = 5;

/** The instant (RFC 3339) of a time of day `19:40` of one service's date `2026-11-27`, in the kitchen's zone. */
export function instantOf(service: string, time: string, zone: string): string {
  const [hour = 0, minute = 0] = time.split(':').map(Number);
  const [year = 1970, month = 1, day = 1] = service.split('-').map(Number);
  const wall_ms = Date.UTC(year, month - 1, day + (hour < NIGHT_ENDS_H ? 1 : 0), hour, minute);
  // The zone's offset depends on the instant that is looked for: the second look is right but within a clock change.
  const first_ms = wall_ms - offsetAt(wall_ms, zone);
  return new Date(wall_ms - offsetAt(first_ms, zone)).toISOString();
}

function offsetAt(at_ms: number, zone: string): number {
  const parts = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
  }).formatToParts(at_ms);
  const of = (type: string) => Number(parts.find((part) => part.type === type)?.value);
  return (
    Date.UTC(of('year'), of('month') - 1, of('day'), of('hour'), of('minute')) - Math.floor(at_ms / 60_000) * 60_000
  );
}
