import type { Child } from 'hono/jsx'

/**
 * Something that wants attention: the word for its kind in the margin (Sign, Left, Carried, Due, Asked), then what it is.
 * @param lead one sentence in large print; only the first on a page has one
 * @param how strong, in small print under the word
 * @param mark the stroke of the red pencil in the margin: signs alone
 */
export const Want = (props: { word: string; how?: string; lead?: Child; mark?: boolean; children?: Child }) => {
  const { word, how, lead, mark, children } = props
  return (
    <div class={mark ? 'want mark' : 'want'}>
      <div class={mark ? 'sign-word' : 'want-word'}>
        {mark ? word : <b>{word}</b>}
        {how === undefined ? (
          ''
        ) : (
          <>
            <br />
            <small>{how}</small>
          </>
        )}
      </div>
      <div>
        {lead === undefined ? '' : <p class="lead">{lead}</p>}
        {children}
      </div>
    </div>
  )
}

/** The red pencil under the words that matter; one a paragraph. */
export const Under = ({ children }: { children?: Child }) => <span class="under">{children}</span>
