import type { FairEntry } from '../../projections/timeline.ts'
import { handBox } from '../form/fields.ts'
import { formBoxes, freshKey } from '../form/send.ts'
import type { View } from '../page.ts'
import { EntryList } from './entry-list.tsx'
import { linesOf, namesOf } from './lines.ts'

/** How many entries one form can have written; an address that names more is not ours. */
const most = 100

/** The ids that an address says were just written, as far as they look like ids. */
export const writtenIds = (written: string | null | undefined): string[] =>
  (written ?? '')
    .split(',')
    .filter((id) => /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/.test(id))
    .slice(0, most)

/**
 * What has just been written, with the way to take it back: an entry is struck, a strike is struck in its turn, an amended entry is amended to
 * what it was, since nothing is erased.
 * @param written ids separated by commas, as the address brings them after a write; nothing is shown for none, or for unknown ones
 * @param alone the entries stand on the page anyway
 */
export const Written = ({
  view,
  written,
  alone = false,
}: {
  view: View
  written: string | null | undefined
  alone?: boolean
}) => {
  const { timeline } = view
  const ids = writtenIds(written).filter((id) => timeline.rootOf(id) !== undefined)
  const entries = [...new Set(ids.map((id) => timeline.rootOf(id)!))].flatMap((root): FairEntry[] => {
    const entry = timeline.find(root)
    return entry ? [entry] : []
  })
  if (entries.length === 0) return null
  const isVersion = (id: string) => entries.some((entry) => entry.versions.some((version) => version.id === id))
  // An id that is no version of its entry is a strike: what was written took the entry back, or revived it.
  const strikes = ids.every((id) => !isVersion(id))
  const amended = ids.every((id) => entries.some((entry) => entry.versions.slice(1).some((one) => one.id === id)))
  const allStruck = entries.every((entry) => entry.struck !== null)
  const noneStruck = entries.every((entry) => entry.struck === null)
  const done = strikes ? noneStruck : allStruck
  const word = strikes ? (noneStruck ? 'Revived' : 'Struck') : allStruck ? 'Struck' : amended ? 'Amended' : 'Written'
  const hand = view.hand || entries[0]!.told.hand
  const one = entries.length === 1
  return (
    <section class="part written" role="status" id="written">
      <h2>{word}</h2>
      {alone ? '' : <EntryList lines={linesOf(view, entries)} view={view} names={namesOf(view)} by="day" />}
      {done ? (
        ''
      ) : (
        <form class="body" method="post" action="/write/back">
          <input type="hidden" name="ids" value={ids.join(',')} />
          <input type="hidden" name={formBoxes.key} value={freshKey()} />
          <input type="hidden" name={formBoxes.from} value={view.here} />
          <input type="hidden" name={handBox} value={hand} />
          <div class="buttons">
            <button type="submit">
              {strikes
                ? 'Take that back'
                : amended
                  ? 'As it was before'
                  : one
                    ? 'Strike it'
                    : `Strike all ${entries.length}`}
            </button>
            {one && !strikes && !alone ? (
              <a class="button" href={`/log/${entries[0]!.root}/amend`}>
                Amend it
              </a>
            ) : (
              ''
            )}
          </div>
        </form>
      )}
    </section>
  )
}
