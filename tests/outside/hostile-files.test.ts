/** Files made to hurt are answered at once, in words. */
import { describe, expect, it } from 'vitest'
import { HOSTILE_FILES, answerTo } from './hostile-files.js'

describe('[RD10] files made to hurt', { timeout: 60_000 }, () => {
  for (const file of HOSTILE_FILES)
    it(`${file.kind}: ${file.what}`, () => {
      const { ms, fault } = answerTo(file)
      expect(fault).toBeUndefined()
      expect(ms).toBeLessThan(2000)
    })
})
