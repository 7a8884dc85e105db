import { dayText, shipDay } from './dates.ts'
import { EntryLine, type Line, type Telling } from './entry-line.tsx'
import type { Names } from './entry-words.ts'

/**
 * Entries on ruled lines, each day under its head. The order is the caller's; days are those of ship's time.
 * @param placeOf what is said beside the head of a day (YYYY-MM-DD): where she lay, from where to where
 * @param blank ruled lines left empty after the last entry; they say that there is room
 * @param by the day in the margin instead of heads; years that are not this one have a head
 */
export const EntryList = (props: {
  lines: readonly Line[]
  view: Telling
  names: Names
  placeOf?: (day: string) => string | undefined
  blank?: number
  by?: 'time' | 'day'
}) => {
  const { lines, view, names, placeOf, blank = 0, by = 'time' } = props
  const today = shipDay(view.now, view.timeline.zoneAt(view.now))
  const dayOf = ({ entry }: Line) => shipDay(entry.at, view.timeline.zoneAt(entry.at))
  const yearHead = (index: number): string | null => {
    const year = dayOf(lines[index]!).slice(0, 4)
    const before = index === 0 ? today.slice(0, 4) : dayOf(lines[index - 1]!).slice(0, 4)
    return by === 'day' && year !== before ? year : null
  }
  const withHours = lines.some(({ hours }) => hours !== undefined)
  return (
    <ol class="ruled">
      {lines.map((line, index) => {
        const day = dayOf(line)
        const before = lines[index - 1]
        const place = placeOf?.(day)
        return (
          <>
            {by === 'time' && (before === undefined || dayOf(before) !== day) ? (
              <li class="day">
                <span class="wide-only">{index === 0 ? (withHours ? 'hours, time' : 'time') : ''}</span>
                <h3>
                  {dayText(day, today)}
                  {place === undefined ? '' : <small>{place}</small>}
                </h3>
              </li>
            ) : (
              ''
            )}
            {yearHead(index) === null ? (
              ''
            ) : (
              <li class="day">
                <span />
                <h3>{yearHead(index)}</h3>
              </li>
            )}
            <EntryLine {...line} view={view} names={names} by={by} />
          </>
        )
      })}
      {Array.from({ length: blank }, () => (
        <li class="entry blank" aria-hidden="true" />
      ))}
    </ol>
  )
}
