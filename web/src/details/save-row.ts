/** The foot of what is edited before it is saved: save, put back, what is missing, and what to do when somebody else was quicker. */
import { html, nothing, type TemplateResult } from 'lit'
import { words } from '../words.js'

export type Outcome = 'none' | 'saved' | 'refused'

export interface SaveRow {
  readonly label: string
  readonly isMain?: boolean
  readonly isChanged: boolean
  readonly isWorking: boolean
  readonly outcome: Outcome
  /** Why it cannot be saved as it stands. */
  readonly fault?: string
  /** Said when something else was saved in the meantime. */
  readonly overtaken?: string
  readonly save: () => void
  readonly putBack: () => void
  readonly keepMine: () => void
}

export function saveRow(row: SaveRow): TemplateResult {
  const canSave = row.isChanged && !row.isWorking && row.fault === undefined
  return html`${
      row.overtaken
        ? html`<div class="issue" role="alert">
            <p>${row.overtaken}</p>
            <p class="acts">
              <button class="btn" type="button" @click=${row.putBack}>${words.details.takeTheirs}</button>
              <button class="btn" type="button" @click=${row.keepMine}>${words.details.keepMine}</button>
            </p>
          </div>`
        : nothing
    }
    <p class="acts saverow">
      <button
        class="btn ${row.isMain ? 'main' : ''}"
        type="button"
        aria-disabled=${canSave && !row.overtaken ? 'false' : 'true'}
        @click=${() => canSave && !row.overtaken && row.save()}
      >
        ${row.label}
      </button>
      ${
        row.isChanged && !row.overtaken
          ? html`<button class="btn bare" type="button" @click=${row.putBack}>${words.details.putBack}</button>`
          : nothing
      }
      <span class="note" role="status">${said(row)}</span>
    </p>`
}

function said({ fault, isChanged, outcome }: SaveRow): string {
  if (outcome === 'refused') return words.details.notSaved
  if (fault !== undefined) return fault
  if (isChanged) return words.details.unsaved
  return outcome === 'saved' ? words.details.saved : ''
}
