/** The station page, what it shows and what it speaks. */
export const station = {
  "station.title": "{station} · Kitchen Timer",
} as const;
