const shortest = 1e-140

/**
 * Least-squares solution of rows * x = right, by Householder's reflections (Golub and Van Loan 1996, section 5.3),
 * which keep twice the digits that the normal equations do. `inverseCross` is (rows' rows)^-1. A square system is
 * solved as it stands. `rank` tells how many columns are independent to within 1e-12 of their length; only when it
 * equals the number of columns is there a `solution`; one shorter than 1e-140 counts as nothing but zeros, since
 * squares would vanish. Needs at least as many rows as columns, all rows equally long, one right side a row.
 */
export function orthogonalSolve(
  rows: readonly (readonly number[])[],
  right: readonly number[],
):
  | { rank: number; solution?: undefined }
  | { rank: number; solution: number[]; inverseCross: () => number[][]; residualSumOfSquares: number } {
  const columns = rows[0]?.length ?? 0
  const a = rows.map((row, i) => {
    if (row.length !== columns) throw new RangeError(`Row ${i} has ${row.length} numbers; expected ${columns} in each.`)
    return Float64Array.from(row)
  })
  if (right.length !== a.length) {
    throw new RangeError(`There are ${a.length} rows and ${right.length} right sides; expected one for each other.`)
  }
  const b = Float64Array.from(right)
  let rank = 0
  for (let j = 0; j < columns; j++) {
    const lengthFrom = (top: number): number => {
      let sum = 0
      for (let i = top; i < a.length; i++) sum += a[i]![j]! ** 2
      return Math.sqrt(sum)
    }
    const whole = lengthFrom(0)
    const below = lengthFrom(j)
    if (!(below > Math.max(shortest, 1e-12 * whole))) continue
    rank++
    if (rank <= j) continue
    const diagonal = a[j]![j]! > 0 ? -below : below
    const reflector = a.slice(j).map((row) => row[j]!)
    reflector[0]! -= diagonal
    const square = reflector.reduce((sum, v) => sum + v * v, 0)
    const reflect = (read: (i: number) => number, write: (i: number, value: number) => void): void => {
      let dot = 0
      for (let i = 0; i < reflector.length; i++) dot += reflector[i]! * read(j + i)
      for (let i = 0; i < reflector.length; i++) write(j + i, read(j + i) - (2 * dot * reflector[i]!) / square)
    }
    for (let c = j; c < columns; c++) {
      reflect(
        (i) => a[i]![c]!,
        (i, value) => {
          a[i]![c] = value
        },
      )
    }
    reflect(
      (i) => b[i]!,
      (i, value) => {
        b[i] = value
      },
    )
  }
  if (rank < columns || columns === 0) return { rank }
  const back = (side: (i: number) => number): number[] => {
    const x = new Array<number>(columns).fill(0)
    for (let i = columns - 1; i >= 0; i--) {
      let sum = side(i)
      for (let c = i + 1; c < columns; c++) sum -= a[i]![c]! * x[c]!
      x[i] = sum / a[i]![i]!
    }
    return x
  }
  const inverseCross = (): number[][] => {
    const inverse = Array.from({ length: columns }, (_, k) => back((i) => (i === k ? 1 : 0)))
    return inverse.map((_, i) =>
      inverse.map((__, j) => inverse.reduce((sum, column) => sum + column[i]! * column[j]!, 0)),
    )
  }
  const residualSumOfSquares = b.subarray(columns).reduce((sum, r) => sum + r * r, 0)
  return { rank, solution: back((i) => b[i]!), inverseCross, residualSumOfSquares }
}
