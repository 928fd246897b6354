/** Whether two values off the wire say the same. Compared where they are: writing both as text costs a slow phone frames. */
export function same(one: unknown, other: unknown): boolean {
  if (one === other) return true;
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null) return false;
  if (Array.isArray(one)) {
    return Array.isArray(other) && one.length === other.length && one.every((each, at) => same(each, other[at]));
  }
  const [a, b] = [one as Record<string, unknown>, other as Record<string, unknown>];
  const keys = Object.keys(a);
  return keys.length === Object.keys(b).length && keys.every((key) => same(a[key], b[key]));
}
