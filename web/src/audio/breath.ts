/** Lets what waits go first, a tap above all: long work is done in slices with a breath between them. */
export function breath(): Promise<void> {
  const { scheduler } = globalThis as { scheduler?: { yield?(): Promise<void> } }
  return scheduler?.yield?.() ?? new Promise((resolve) => setTimeout(resolve, 0))
}
