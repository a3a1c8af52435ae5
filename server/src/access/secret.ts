/** The server's secret and everything derived from it: link tokens, and the hashes under which tokens and cookies are kept. */
import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto'
import { chmodSync, existsSync, linkSync, readFileSync, unlinkSync, writeFileSync } from 'node:fs'
import { dirname } from 'node:path'
import { StartError, messageOf } from '../errors.js'
import { makeFolder } from '../store/make-folder.js'

const SECRET_BYTES = 32

export interface Keyring {
  /** The token of a link, 43 base64url characters: always the same for the same link, so that a repeated command can repeat its answer. */
  linkToken(linkId: string): string
  /** What is stored in place of a token. */
  tokenHash(token: string): string
  /** What is stored in place of a cookie's value. */
  sessionHash(cookie: string): string
}

/** Reads the secret, or makes it (mode 600) where the file is absent. Throws StartError where that cannot be done. */
export function openKeyring(secretFile: string): Keyring {
  return keyringOf(readOrMake(secretFile))
}

export function keyringOf(secret: Uint8Array): Keyring {
  const mac = (text: string) => createHmac('sha256', secret).update(text).digest('base64url')
  return {
    linkToken: (linkId) => mac(`link:${linkId}`),
    tokenHash: (token) => mac(`token:${token}`),
    sessionHash: (cookie) => mac(`session:${cookie}`),
  }
}

/** Equality that takes the same time wherever two texts differ. */
export function sameText(a: string, b: string): boolean {
  const [left, right] = [Buffer.from(a), Buffer.from(b)]
  return left.length === right.length && timingSafeEqual(left, right)
}

/** An id of ours: `bytes` random bytes in base64url. */
export const randomId = (bytes = 12): string => randomBytes(bytes).toString('base64url')

/** Made whole under another name first: of several processes that start at once one is heard, and the others read what it made. */
function make(path: string): Uint8Array {
  const unfinished = `${path}.${randomId(6)}`
  writeFileSync(unfinished, randomBytes(SECRET_BYTES), { mode: 0o600, flag: 'wx' })
  try {
    chmodSync(unfinished, 0o600)
    linkSync(unfinished, path)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error
  } finally {
    unlinkSync(unfinished)
  }
  return readFileSync(path)
}

function readOrMake(path: string): Uint8Array {
  try {
    if (existsSync(path)) {
      const secret = readFileSync(path)
      if (secret.length < SECRET_BYTES)
        throw new StartError(
          `SECRET_FILE '${path}' is too short: ${SECRET_BYTES} bytes are needed. Remove it to have a new one made.`,
        )
      return secret
    }
    makeFolder(dirname(path))
    return make(path)
  } catch (error) {
    if (error instanceof StartError) throw error
    throw new StartError(`SECRET_FILE '${path}' can be neither read nor made: ${messageOf(error)}.`)
  }
}
