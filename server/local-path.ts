/** The address if it is one of this book's own, else the first page: a redirect must not lead elsewhere. */
export function localPath(address: unknown): string {
  const here = 'http://localhost'
  if (typeof address !== 'string' || !address.startsWith('/')) return '/'
  const url = URL.canParse(address, here) ? new URL(address, here) : undefined
  return url?.origin === here ? `${url.pathname}${url.search}${url.hash}` : '/'
}
