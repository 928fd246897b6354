/** Offset between two clocks from four timestamps (RFC 5905 calls them T1 to T4), all in ms. */

export interface Probe {
  /** Sent, by this device. */ t1: number;
  /** Received, by the server. */ t2: number;
  /** Answered, by the server. */ t3: number;
  /** Received, by this device. */ t4: number;
}

export interface Offset {
  /** Server clock minus device clock, ms. */
  offset_ms: number;
  /** Half of the smallest round trip: the offset is no further off than this, ms. */
  error_ms: number;
}

/**
 * The offset by two-sided minima: the quickest way there and the quickest way back need not belong to one probe,
 * which holds up better on a jittery kitchen network than taking the probe with the smallest round trip.
 */
export function offsetOf(probes: readonly Probe[]): Offset | null {
  if (probes.length === 0) return null;
  const there = Math.min(...probes.map((p) => p.t2 - p.t1));
  const back = Math.max(...probes.map((p) => p.t3 - p.t4));
  const trips = probes.map((p) => p.t4 - p.t1 - (p.t3 - p.t2));
  return { offset_ms: (there + back) / 2, error_ms: Math.max(0, Math.min(...trips)) / 2 };
}
