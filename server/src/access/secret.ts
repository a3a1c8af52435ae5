/** The server's secret and everything derived from it: link tokens, and the hashes under which tokens and cookies are kept. */
import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto'
import { chmodSync, existsSync, readFileSync, writeFileSync } from 'node:fs'
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
    const secret = randomBytes(SECRET_BYTES)
    writeFileSync(path, secret, { mode: 0o600, flag: 'wx' })
    chmodSync(path, 0o600)
    return secret
  } catch (error) {
    if (error instanceof StartError) throw error
    throw new StartError(`SECRET_FILE '${path}' can be neither read nor made: ${messageOf(error)}.`)
  }
}
