/** The base of every element: drawn into the page itself, so that one stylesheet, one grid and one set of labels reach everything. */
import { LitElement } from 'lit'

export class LoftElement extends LitElement {
  protected override createRenderRoot(): HTMLElement {
    return this
  }
}
