/** What somebody typed into a form's field: trimmed text, '' where there is none. */
export function fieldText(from: Event | HTMLFormElement, name: string): string {
  const form = from instanceof HTMLFormElement ? from : (from.target as HTMLFormElement)
  const value = new FormData(form).get(name)
  return typeof value === 'string' ? value.trim() : ''
}
