/** A mistake of the reader's or in the sheets: its words are for the reader, and the program is well. */
export class Refused extends Error {}
