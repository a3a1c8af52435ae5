/** The validator: one file a fault family, every finding with its bar and its mend. */
export { validate } from './validate.js'
