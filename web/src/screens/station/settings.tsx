import { signalWith } from '../../alarm/cue_alarm';
import { type AlarmSettings, alarmSettings, turnOver } from '../../alarm/settings';
import { canSpeak, cueLine, speak } from '../../alarm/speech';
import { unlockSound } from '../../alarm/tones';
import { canVibrate } from '../../alarm/vibration';
import { theme, turnTheme } from '../../board/theme';
import { say } from '../../words/say';

/** What this device sounds, speaks and shakes for, and whether its screen is bright. */
export function Settings() {
  const settings = alarmSettings.value;
  const all: [keyof AlarmSettings, string, boolean][] = [
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
    if (settings.speech) speak(cueLine(say('station.example_station'), { ...example, allergies: [] }));
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
        <input type="checkbox" checked={theme.value === 'light'} onChange={turnTheme} />
        {say('station.setting_bright')}
      </label>
      <button type="button" onClick={() => void hear()}>
        {say('station.try_sound')}
      </button>
    </fieldset>
  );
}
