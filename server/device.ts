import type { Context } from 'hono'
import { getCookie, setCookie } from 'hono/cookie'

/** What sticks to the device and not to the book: the sheet by which one reads, and whose hand writes. */

const sheetCookie = 'sheet'
const handCookie = 'hand'

// SameSite=Strict: no other site needs them. HttpOnly: the page is told both in its HTML, so script need not read them.
// 400 days is the longest that browsers keep a cookie (RFC 6265bis, section 5.5).
const kept = { path: '/', sameSite: 'Strict', httpOnly: true, maxAge: 400 * 86_400 } as const

/** The sheet that the device asked for; day at first. */
export const sheetOf = (c: Context): 'day' | 'night' => (getCookie(c, sheetCookie) === 'night' ? 'night' : 'day')

/** Keeps the sheet on the device. */
export const rememberSheet = (c: Context, sheet: 'day' | 'night'): void => setCookie(c, sheetCookie, sheet, kept)

/** The initials that the device remembers; empty at first. */
export const handOf = (c: Context): string => {
  const hand = getCookie(c, handCookie) ?? ''
  return isHand(hand) ? hand : ''
}

/** Keeps the initials on the device, for the next form; a text that no entry would take as a hand is not kept. */
export const rememberHand = (c: Context, hand: string): void => {
  if (isHand(hand)) setCookie(c, handCookie, hand, kept)
}

const isHand = (text: string): boolean => text.length >= 1 && text.length <= 24 && !/\p{Cc}/u.test(text)
