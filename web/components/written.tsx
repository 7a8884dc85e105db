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
 * What has just been written, with the way to take it back: a strike, since nothing is erased. Taking back a strike revives.
 * @param written ids separated by commas, as the address brings them after a write; nothing is shown for none, or for unknown ones
 */
export const Written = ({ view, written }: { view: View; written: string | null | undefined }) => {
  const { timeline } = view
  const ids = writtenIds(written).filter((id) => timeline.rootOf(id) !== undefined)
  const entries = [...new Set(ids.map((id) => timeline.rootOf(id)!))].flatMap((root): FairEntry[] => {
    const entry = timeline.find(root)
    return entry ? [entry] : []
  })
  if (entries.length === 0) return null
  // An id that is no version of its entry is a strike: what was written took the entry back.
  const strikes = entries.every((entry) => !entry.versions.some((version) => ids.includes(version.id)))
  const undone = !strikes && entries.every((entry) => entry.struck !== null)
  const revived = strikes && entries.every((entry) => entry.struck === null)
  const hand = view.hand || entries[0]!.told.hand
  const one = entries.length === 1
  return (
    <section class="part written" role="status" id="written">
      <h2>{strikes ? (revived ? 'Revived' : 'Struck') : undone ? 'Struck' : 'Written'}</h2>
      <EntryList lines={linesOf(view, entries)} view={view} names={namesOf(view)} by="day" />
      {undone || revived ? (
        ''
      ) : (
        <form class="body" method="post" action="/write/strike">
          <input type="hidden" name="ids" value={ids.join(',')} />
          <input type="hidden" name={formBoxes.key} value={freshKey()} />
          <input type="hidden" name={formBoxes.from} value={view.here} />
          <input type="hidden" name={handBox} value={hand} />
          <div class="buttons">
            <button type="submit">
              {strikes ? 'Take that back' : one ? 'Strike it' : `Strike all ${entries.length}`}
            </button>
            {one && !strikes ? (
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
