#!/usr/bin/env node
// The command line's door: the program itself is built from src/cli.
import { runCli } from '../dist/cli/index.js'

process.exitCode = await runCli(process.argv.slice(2), process)
