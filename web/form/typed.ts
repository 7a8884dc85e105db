import type { Context } from 'hono'

/** What stands in the boxes of a form, as typed: every name with its values. Nothing is read into it. */
export class Typed {
  private readonly boxes: Map<string, string[]>

  constructor(boxes: Iterable<readonly [string, string | readonly string[]]> = []) {
    this.boxes = new Map()
    for (const [name, value] of boxes) {
      const there = this.boxes.get(name) ?? []
      there.push(...(typeof value === 'string' ? [value] : value))
      this.boxes.set(name, there)
    }
  }

  /** The first value of a box; empty for a box that is not there. */
  get(name: string): string {
    return this.boxes.get(name)?.[0] ?? ''
  }

  /** All values of a box, as ticked boxes of one name give them; empty for a box that is not there. */
  all(name: string): readonly string[] {
    return this.boxes.get(name) ?? []
  }

  /** Whether the form had such a box, empty or not. */
  has(name: string): boolean {
    return this.boxes.has(name)
  }

  /** Whether anything stands in one of the boxes whose name passes. */
  some(test: (name: string) => boolean): boolean {
    for (const [name, values] of this.boxes) if (test(name) && values.some((value) => value.trim() !== '')) return true
    return false
  }

  /** The same boxes with some filled in otherwise. */
  with(changes: Readonly<Record<string, string>>): Typed {
    return new Typed([...[...this.boxes].filter(([name]) => !(name in changes)), ...Object.entries(changes)])
  }
}

/** The boxes of a posted form; a body that is no form has none. */
export async function typedIn(c: Context): Promise<Typed> {
  try {
    const body = await c.req.formData()
    return new Typed([...body].map(([name, value]) => [name, typeof value === 'string' ? value : ''] as const))
  } catch {
    return new Typed()
  }
}

/** The boxes that an address fills in: /write/defect-found?equipment=heater-hose. */
export const typedOf = (c: Context): Typed => new Typed(Object.entries(c.req.queries()))
