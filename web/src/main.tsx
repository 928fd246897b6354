import './styles/type.css';
import './styles/base.css';
import { render } from 'preact';
import { App } from './app/routes';
import { loadKitchen } from './board/kitchen';
import { wearTheme } from './board/theme';
import { wind } from './clock/kitchen_clock';
import { keepForOffline } from './pwa/register';
import { speakIn, wantedLanguage } from './words/language';

wearTheme();
wind();
void loadKitchen();
keepForOffline();
void speakIn(wantedLanguage()).then(() => {
  render(<App path={location.pathname} />, document.getElementById('app') as HTMLElement);
});
