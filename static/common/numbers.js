// Small sums that several pages do.

/** A value kept within its bounds; where these cross, the lower one holds. */
export function between(value, low, high) {
  return Math.min(Math.max(value, low), Math.max(low, high));
}

/** A length of time as it is said: "1 h 5 min". `minutes` is a whole number. */
export function hoursAndMinutes(minutes) {
  const hours = Math.floor(minutes / 60);
  return hours ? `${hours} h ${minutes % 60} min` : `${minutes} min`;
}
