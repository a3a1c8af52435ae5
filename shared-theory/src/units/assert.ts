/** Our own mistakes stop the run; what users give never comes here. */
export function assert(condition: unknown, message: string): asserts condition {
  if (!condition) throw new Error(`broken promise: ${message}`)
}

/** The value, which our own reasoning says is there. */
export function must<T>(value: T | undefined | null, message: string): T {
  assert(value !== undefined && value !== null, message)
  return value
}
