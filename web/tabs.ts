/** A tab on the edge of the sheet. */
export interface Tab {
  readonly path: string
  readonly title: string
  /** It stands in the row at the foot of a phone, which holds five and the Index; the others are reached through the Index. */
  readonly foot: boolean
}

/** The tabs, in page order; a page gets its line here when it exists. */
export const tabs: readonly Tab[] = [
  { path: '/', title: 'Today', foot: true },
  { path: '/log', title: 'Log', foot: true },
  { path: '/due', title: 'Due', foot: true },
  { path: '/rounds', title: 'Rounds', foot: true },
  { path: '/equipment', title: 'Equipment', foot: true },
]

/** The page that lists all others. */
export const indexTab: Tab = { path: '/index', title: 'Index', foot: true }
