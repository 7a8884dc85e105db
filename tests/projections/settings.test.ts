import { expect, test } from 'vitest'
import { type Dimension, dimensionOf, dimensions } from '../../events/units.ts'
import { settings, shownUnit } from '../../projections/settings.ts'
import { fold } from '../../projections/timeline.ts'
import { given } from './entries.ts'

test('each field holds as it was last set, and a setting that says nothing of it leaves it', () => {
  const book = given()
  book.write('book-set', '2026-06-01T08:00:00Z', { boat: 'Tirvane', temperatureUnit: 'Cel', note: 'first' })
  book.write('book-set', '2026-07-01T08:00:00Z', { temperatureUnit: '[degF]', why: 'for a guest' })
  book.write('book-set', '2026-05-01T08:00:00Z', { boat: 'Nameless', zone: 'Europe/Stockholm' })
  expect(fold(settings, book.told())).toEqual({
    boat: 'Tirvane',
    temperatureUnit: '[degF]',
    zone: 'Europe/Stockholm',
  })
})

test('a setting that was struck gives back the one before', () => {
  const book = given()
  book.write('book-set', '2026-06-01T08:00:00Z', { pressureUnit: 'bar' })
  book.strike(book.write('book-set', '2026-07-01T08:00:00Z', { pressureUnit: '[psi]' }), '2026-07-02T08:00:00Z')
  expect(fold(settings, book.told())).toEqual({ pressureUnit: 'bar' })
})

test('an empty book sets nothing', () => {
  expect(fold(settings, given().told())).toEqual({})
})

test('figures of every dimension are shown in a unit of that dimension', () => {
  for (const dimension of Object.keys(dimensions) as Dimension[])
    expect(dimensionOf(shownUnit({}, dimension)), dimension).toBe(dimension)
})

test('figures are shown in the unit that was set for their dimension', () => {
  const set = {
    temperatureUnit: '[degF]',
    pressureUnit: '[psi]',
    volumeUnit: '[gal_us]',
    distanceUnit: 'km',
    lengthUnit: '[in_i]',
    torqueUnit: '[lbf_av].[ft_i]',
    forceUnit: '[lbf_av]',
    speedUnit: 'km/h',
    massUnit: '[lb_av]',
    powerUnit: '[HP]',
  }
  for (const [name, unit] of Object.entries(set))
    expect(shownUnit(set, name.replace('Unit', '') as Dimension)).toBe(unit)
  expect(shownUnit(set, 'time')).toBe('h')
})
