/** Our own mistakes stop the run; what users give never comes here. */
export function must<T>(value: T | undefined | null, message: string): T {
  if (value === undefined || value === null) throw new Error(`broken promise: ${message}`)
  return value
}
