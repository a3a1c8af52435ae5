import { serve } from '../main.js'
export async function runCli(argv: readonly string[], proc: NodeJS.Process): Promise<number> {
  return serve({ demo: argv.includes('--demo'), open: false }, proc)
}
