/**
 * The words of the call, or the input, are unusable: said in plain words, without a stack, with exit code 2,
 * and nothing was written.
 */
export class Unusable extends Error {
  override readonly name = "Unusable";
}
