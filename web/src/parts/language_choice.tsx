import { chooseLanguage, LANGUAGES, type Language, spoken } from '../words/language';
import { say } from '../words/say';

/** The language of this device's texts, each under its own name. */
export function LanguageChoice() {
  return (
    <label class="language">
      {say('station.setting_language')}
      <select value={spoken.value.language} onChange={(event) => chooseLanguage(event.currentTarget.value as Language)}>
        {Object.entries(LANGUAGES).map(([language, { name, tag }]) => (
          <option key={language} value={language} lang={tag}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
}
