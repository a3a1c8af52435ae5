/** Language and note names of this browser. A choice opens the page anew: everything on it is said again. */
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { NOTE_NAMES, type NoteNames, noteNames } from '../look/note-names.js'
import { words } from '../words.js'
import { type Chosen, chooseSpeech, type Language, LANGUAGES } from './speech.js'

@customElement('loft-speech')
export class LoftSpeech extends LoftElement {
  @property({ attribute: false }) storage: Storage | undefined
  /** The poll page shows no chord symbols of its own. */
  @property({ type: Boolean, attribute: 'language-only' }) languageOnly = false

  protected override render(): TemplateResult {
    const { music } = words
    const now = document.documentElement.lang
    return html`<div class="fieldrow speech">
        <label
          ><span>${music.language}</span
          ><select @change=${(event: Event) => this.choose({ language: valueOf(event) as Language })}>
            ${Object.entries(LANGUAGES).map(
              ([code, name]) => html`<option value=${code} lang=${code} ?selected=${code === now}>${name}</option>`,
            )}
          </select></label
        >
        ${
          this.languageOnly
            ? nothing
            : html`<label
                ><span>${music.noteNames}</span
                ><select @change=${(event: Event) => this.choose({ noteNames: valueOf(event) as NoteNames })}>
                  ${NOTE_NAMES.map(
                    (one) =>
                      html`<option value=${one} ?selected=${one === noteNames()}>
                        ${music.noteNameChoices[one]}
                      </option>`,
                  )}
                </select></label
              >`
        }
      </div>
      <p class="note">${music.inEnglish} ${this.languageOnly ? nothing : music.noteNamesNote}</p>`
  }

  private choose(chosen: Chosen): void {
    chooseSpeech(this.storage, chosen)
    location.reload()
  }
}

const valueOf = (event: Event): string => (event.target as HTMLSelectElement).value
