/** `@chartloft/shared-theory`: all music and all board rules, pure. The exports below are the contract; see SPEC.md for the rules. */
export * from './contract/index.js'
