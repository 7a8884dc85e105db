/** As much of the library as the reference checks use; it brings no types of its own. */
declare module '@lhncbc/ucum-lhc' {
  interface Ucum {
    validateUnitString(code: string): { status: 'valid' | 'invalid' | 'error'; ucumCode: string | null; msg: string[] }
    convertUnitTo(from: string, value: number, to: string): { status: string; toVal: number | null; msg: string[] }
  }
  export const UcumLhcUtils: { getInstance(): Ucum }
}
