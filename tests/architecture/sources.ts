/** The repository's TypeScript sources as text, and the imports they make: what the architecture tests read. */
import { readFileSync, readdirSync } from 'node:fs'
import { dirname, join, normalize, relative } from 'node:path'
import { fileURLToPath } from 'node:url'

export const ROOT = fileURLToPath(new URL('../..', import.meta.url))

export interface SourceFile {
  /** From the root, with forward slashes. */
  readonly path: string
  readonly text: string
  readonly imports: readonly { readonly specifier: string; readonly target?: string }[]
}

const IMPORT =
  /(?:^|\n)\s*(?:import|export)\s[^'"\n]*?(?:\{[^}]*\}[^'"\n]*?)?from\s+['"]([^'"]+)['"]|import\(\s*['"]([^'"]+)['"]\s*\)|(?:^|\n)\s*import\s+['"]([^'"]+)['"]/g

export function filesUnder(folder: string, accept: (path: string) => boolean): readonly string[] {
  const found: string[] = []
  const walk = (path: string) => {
    for (const entry of readdirSync(join(ROOT, path), { withFileTypes: true })) {
      if (['node_modules', 'dist', 'out', 'data'].includes(entry.name)) continue
      const inner = `${path}/${entry.name}`
      if (entry.isDirectory()) walk(inner)
      else if (accept(inner)) found.push(inner)
    }
  }
  walk(folder)
  return found.sort()
}

export function sourcesOf(folder: string): readonly SourceFile[] {
  return filesUnder(folder, (path) => path.endsWith('.ts')).map((path) => {
    const text = readFileSync(join(ROOT, path), 'utf8')
    const imports = [...text.matchAll(IMPORT)].map((found) => {
      const specifier = (found[1] ?? found[2] ?? found[3]) as string
      if (!specifier.startsWith('.')) return { specifier }
      const target = relative(ROOT, normalize(join(ROOT, dirname(path), specifier)))
        .replaceAll('\\', '/')
        .replace(/\.js$/, '.ts')
      return { specifier, target }
    })
    return { path, text, imports }
  })
}
