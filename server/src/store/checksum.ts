/** CRC-32 of stored bytes: a torn or rotten row is told from a whole one. */
import { crc32 } from 'node:zlib'

export const checksum = (bytes: Uint8Array): number => crc32(bytes)
