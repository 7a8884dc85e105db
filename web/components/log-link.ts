import type { Selection } from '../../projections/figure.ts'

/** An address that stays in the past that is looked at; `keep` is '' or a query such as "as-of=2026-06-01". */
export function withKeep(address: string, keep: string): string {
  if (keep === '') return address
  const [path, fragment] = address.split('#') as [string, string?]
  return `${path}${path.includes('?') ? '&' : '?'}${keep}${fragment === undefined ? '' : `#${fragment}`}`
}

/** The Log, showing the entries of a selection. A single entry is shown by the same page as any other selection. */
export function logLink(selection: Selection, keep = ''): string {
  const query = selectionQuery(selection)
  return withKeep(query === '' ? '/log' : `/log?${query}`, keep)
}

/** A selection as the query of the Log: kind and entry may stand several times, since and until are RFC 3339. */
export function selectionQuery(selection: Selection): string {
  const query = new URLSearchParams()
  for (const kind of selection.kinds ?? []) query.append('kind', kind)
  for (const name of ['equipment', 'meter', 'task'] as const) {
    const handle = selection[name]
    if (handle !== undefined) query.set(name, handle)
  }
  for (const name of ['since', 'until'] as const) {
    const at = selection[name]
    if (at !== undefined) query.set(name, new Date(at).toISOString())
  }
  for (const entry of selection.entries ?? []) query.append('entry', entry)
  return query.toString()
}

/** The selection that a query of the Log asks for; what is empty or cannot be read as a time is left out. */
export function selectionOf(query: URLSearchParams): Selection {
  const several = (name: string) => query.getAll(name).filter((value) => value !== '')
  const single = (name: string) => query.get(name) || undefined
  const moment = (name: string) => {
    const at = Date.parse(query.get(name) ?? '')
    return Number.isNaN(at) ? undefined : at
  }
  const found = {
    kinds: several('kind').length > 0 ? several('kind') : undefined,
    equipment: single('equipment'),
    meter: single('meter'),
    task: single('task'),
    since: moment('since'),
    until: moment('until'),
    entries: several('entry').length > 0 ? several('entry') : undefined,
  }
  return Object.fromEntries(Object.entries(found).filter(([, value]) => value !== undefined)) as Selection
}
