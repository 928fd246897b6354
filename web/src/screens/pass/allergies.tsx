import { atTable } from '../../board/course';
import type { AllergyView } from '../../wire/messages';

/** The allergies of a course, each in a block of its own with the plate it belongs to; brief: without dish and fryer. */
export function Allergies({ allergies, brief }: { allergies: readonly AllergyView[]; brief: boolean }) {
  if (allergies.length === 0) return null;
  return (
    <ul class="allergies">
      {allergies.map((allergy) => (
        <li key={allergy.words + allergy.dish} class="allergy">
          {atTable(allergy)}
          {!brief && (
            <small>
              {allergy.dish}
              {allergy.cross_contact !== '' && ` · ${allergy.cross_contact}`}
            </small>
          )}
        </li>
      ))}
    </ul>
  );
}
