import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'

// The rule: each file of projections/statistics/ is imported, by name and for its values, by a test file of
// tests/reference/ that reads a data set of tests/reference/data/. estimate.ts is let off: it holds the shape of
// results and the refusal of bad input, and calculates nothing.
const calculatesNothing = ['estimate.ts']

const folder = (path: string) => new URL(path, import.meta.url)
const estimators = readdirSync(folder('../../projections/statistics/'))
  .filter((file) => file.endsWith('.ts'))
  .filter((file) => !calculatesNothing.includes(file))
const dataSets = readdirSync(folder('data/')).map((file) => file.replace(/\.[^.]+$/, ''))
const tests = readdirSync(folder('.'))
  .filter((file) => /\.test\.tsx?$/.test(file))
  .map((file) => readFileSync(folder(file), 'utf8'))

const importsValuesOf = (text: string, file: string) =>
  [...text.matchAll(/^import\s+(?!type\b)[^'"]*from\s+['"]([^'"]+)['"]/gm)].some(([, path]) =>
    path!.endsWith(`/projections/statistics/${file}`),
  )
const readsDataSet = (text: string) => /readReference|data\//.test(text)

describe('every estimator has a reference', () => {
  it.each(estimators)('%s is exercised by a test that reads a reference data set', (file) => {
    const exercised = tests.filter((text) => readsDataSet(text) && importsValuesOf(text, file))
    expect(exercised, `add a check of projections/statistics/${file} against a published value`).not.toEqual([])
  })

  it('an estimator that no test imports would be found', () => {
    expect(estimators.length).toBeGreaterThan(20)
    expect(tests.some((text) => importsValuesOf(text, 'no-such-estimator.ts'))).toBe(false)
    expect(importsValuesOf(`import type { X } from '../../projections/statistics/normal.ts'`, 'normal.ts')).toBe(false)
    expect(importsValuesOf(`import { x } from '../../projections/statistics/normal.ts'`, 'normal.ts')).toBe(true)
  })

  it('every statistical data set is read by a test', () => {
    const statistical = dataSets.filter((name) => /^(dist|life|trend|robust|control)-/.test(name))
    const namesIn = tests.join('\n')
    // A test may build the name from its family and a list: both parts must then be there.
    const isRead = (name: string) => {
      if (namesIn.includes(`'${name}'`)) return true
      const parts = [...name.matchAll(/-/g)].map(({ index }) => [name.slice(0, index + 1), name.slice(index + 1)])
      return parts.some(
        ([family, member]) => namesIn.includes(`\`${family}$`) && new RegExp(`['\\s]${member}['":]`).test(namesIn),
      )
    }
    expect(statistical.length).toBeGreaterThan(30)
    expect(statistical.filter((name) => !isRead(name))).toEqual([])
  })
})
