/** Addresses and networks somebody may come from. */
import { BlockList, isIP } from 'node:net'

const LOOPBACK = ['127.0.0.0/8', '::1']

/** Whether a text is an address, or a network with how many of its bits count. */
export function isNetwork(text: string): boolean {
  const [address = '', bits, more] = text.split('/')
  const version = isIP(address)
  if (version === 0 || more !== undefined) return false
  return bits === undefined || (/^\d{1,3}$/.test(bits) && Number(bits) <= (version === 4 ? 32 : 128))
}

/** Answers whether an address is this machine's own or in one of the networks; an IPv4 address in IPv6's clothes is itself. */
export function isFrom(networks: readonly string[]): (address: string) => boolean {
  const list = new BlockList()
  for (const network of [...LOOPBACK, ...networks]) {
    const [address = '', bits] = network.split('/')
    const family = isIP(address) === 4 ? 'ipv4' : 'ipv6'
    if (bits === undefined) list.addAddress(address, family)
    else list.addSubnet(address, Number(bits), family)
  }
  return (address) => {
    const plain = address.replace(/^::ffff:(?=\d+\.)/i, '')
    const version = isIP(plain)
    return version !== 0 && list.check(plain, version === 4 ? 'ipv4' : 'ipv6')
  }
}
