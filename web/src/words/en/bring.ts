/** Bringing a tune, as other pages speak of it: the page's own sentences are in bringing.ts, loaded with it. */

export const bring = {
  title: 'Bring a tune',
  keptHere: 'This board is kept on your band’s own server',
  whose: 'Whose tune is it?',
  rights: { own: 'Ours', 'public-domain': 'Public domain', licensed: 'Somebody else’s', unknown: 'Not sure yet' },
  careTitle: 'Before you share it.',
  care: 'Arranging somebody else’s tune usually needs permission from its rights holder. Passing on a recording or printing parts may need a licence too. Rules differ by country, so ask the rights holder or a licensing body.',
  linksTitle: 'The board is open. Here are its keys.',
  linksNote: 'A link is a key: whoever has it comes in. Keep the leader’s for yourself.',
  linksKept: 'I have kept them',
} as const
