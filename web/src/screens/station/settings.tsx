import { signalWith } from '../../alarm/cue_alarm';
import { alarmSettings, set, turnOver } from '../../alarm/settings';
import { canSpeak, cueLine, speak } from '../../alarm/speech';
import { unlockSound } from '../../alarm/tones';
import { canVibrate } from '../../alarm/vibration';
import { theme, turnTheme } from '../../board/theme';
import { LanguageChoice } from '../../parts/language_choice';
import { installable, install as keepPage } from '../../pwa/register';
import { say } from '../../words/say';

/** What this device sounds, speaks and shakes for, when it keeps silent, in which language, and in which light. */
export function Settings() {
  const settings = alarmSettings.value;
  const all: ['sound' | 'speech' | 'vibration', string, boolean][] = [
    ['sound', say('station.setting_sound'), true],
    ['speech', say('station.setting_speech'), canSpeak()],
    ['vibration', say('station.setting_vibration'), canVibrate()],
  ];
  const hear = async () => {
    await unlockSound();
    signalWith('cue');
    const example = {
      component_name: say('station.example'),
      portions: 3,
      tables: ['6'],
      do: say('station.example_do'),
    };
    if (settings.speech) speak(cueLine(say('station.example_station'), { ...example, allergies: [] }), settings.volume);
  };
  return (
    <fieldset class="settings">
      <legend class="unseen">{say('station.settings')}</legend>
      {all
        .filter(([, , there]) => there)
        .map(([which, words]) => (
          <label key={which}>
            <input type="checkbox" checked={settings[which]} onChange={() => turnOver(which)} />
            {words}
          </label>
        ))}
      <label>
        {say('station.setting_volume')}
        <input
          type="range"
          min="0.1"
          max="1"
          step="0.1"
          value={settings.volume}
          onInput={(event) => set({ volume: Number(event.currentTarget.value) })}
        />
      </label>
      <button type="button" onClick={() => void hear()}>
        {say('station.try_sound')}
      </button>
      <div class="quiet-hours">
        <label>
          {say('station.setting_quiet')}
          <input
            type="time"
            value={settings.quiet_from}
            onInput={(event) => set({ quiet_from: event.currentTarget.value })}
          />
        </label>
        <label>
          {say('station.setting_quiet_to')}
          <input
            type="time"
            value={settings.quiet_to}
            onInput={(event) => set({ quiet_to: event.currentTarget.value })}
          />
        </label>
      </div>
      <p class="quiet">{say('station.setting_quiet_says')}</p>
      <LanguageChoice />
      <p class="quiet">{say('station.setting_language_says')}</p>
      <label>
        <input type="checkbox" checked={theme.value === 'light'} onChange={turnTheme} />
        {say('station.setting_bright')}
      </label>
      {installable.value !== null && (
        <button type="button" onClick={() => void keepPage()}>
          {say('station.install')}
        </button>
      )}
    </fieldset>
  );
}
