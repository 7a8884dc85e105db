/**
 * A caution, directly above the thing to be touched: its first sentence bold, at most one more. The words stand in
 * projections/cautions.ts; this only sets them. A `tail` says where the last word is: the maker's manual.
 */
export const Caution = ({
  first,
  then,
  tail,
}: {
  first: string
  then?: string | undefined
  tail?: string | undefined
}) => (
  <p class="caution">
    <b>{first}</b>
    {then === undefined ? '' : ` ${then}`}
    {tail === undefined ? '' : ` ${tail}`}
  </p>
)
