/** The command line's contract. */
export { runCli } from './run.js'
