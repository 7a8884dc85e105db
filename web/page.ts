import type { Hono } from 'hono'
import type { Settings } from '../projections/settings.ts'
import type { AsOf, Timeline } from '../projections/timeline.ts'
import type { Book } from '../server/book.ts'

/** What every request carries, set once by the app: pages read it with `c.get('view')`. */
export interface View {
  /** The past asked for with ?as-of= and ?as-known=; empty for now. */
  readonly past: AsOf
  /** The moment the page speaks of: the past asked for, else the book's clock; milliseconds. */
  readonly now: number
  readonly timeline: Timeline
  readonly settings: Settings
  /** The sheet asked for by the device (a cookie). */
  readonly sheet: 'day' | 'night'
  /** Initials that stick to the device (a cookie); empty at first. */
  readonly hand: string
  /** The query that keeps the past while one walks from page to page: '' or 'as-of=...&as-known=...'. */
  readonly keep: string
  /** Path and query of this page without the past: where "back to now" leads, and to which the night sheet returns. */
  readonly here: string
  /** The book's clock is pinned, as the sample boat's is; every page says so. */
  readonly pinned: boolean
  /** How many rows of the book could not be read; the page says so, with a link to /log/unread. */
  readonly unread: number
}

/** The environment of every page's Hono app. */
export interface Env {
  Variables: { book: Book; view: View }
}

/** A page: where it is, what it is called, its routes. One line in the list of pages registers it. */
export interface Page {
  /** Address under which its routes are mounted, such as /due. */
  readonly path: string
  /** The word on its tab and at its head. */
  readonly title: string
  /** Whether it has a tab; the others are reached from pages and from the Index. */
  readonly tab: boolean
  readonly routes: Hono<Env>
}
