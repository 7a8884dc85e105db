import { type CautionText, lastWord } from '../../projections/cautions.ts'
import { Caution } from './caution.tsx'

/** A caution of the trade in its place; with nothing to say it says nothing. */
export const TradeCaution = ({ of }: { of: CautionText | undefined }) =>
  of === undefined ? null : <Caution first={of.first} then={of.also} tail={lastWord} />
