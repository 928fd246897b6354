import { useEffect } from 'preact/hooks';
import { colourOf } from '../../board/colours';
import { kitchen } from '../../board/kitchen';
import { theme, turnTheme } from '../../board/theme';
import { LanguageChoice } from '../../parts/language_choice';
import { say } from '../../words/say';
import './front.css';

export default function FrontPage() {
  useEffect(() => {
    document.title = say('front.title');
  }, []);
  const place = kitchen.value;
  if (place === null) return <p class="front-loading">{say('front.loading')}</p>;
  return (
    <main class="front">
      <header>
        <div>
          <h1>{place.name}</h1>
          <p class="quiet">
            {say('front.title')} · {say('front.what')}
          </p>
        </div>
        <div class="front-choices">
          <LanguageChoice />
          <button type="button" onClick={turnTheme}>
            {say(theme.value === 'dark' ? 'theme.light' : 'theme.dark')}
          </button>
        </div>
      </header>
      {place.demo && (
        <p class="front-demo">
          {say('front.demo')} {place.speed !== 1 && say('front.demo_speed', { speed: place.speed })}
        </p>
      )}
      <p class="quiet">{say(place.lan ? 'front.lan' : 'front.this_machine')}</p>
      <h2>{say('front.screens')}</h2>
      <ul class="doors">
        <Door path="/pass" name={say('front.pass')} words={say('front.pass_says')} address={place.address} />
        <Door path="/order" name={say('front.order')} words={say('front.order_says')} address={place.address} />
        <Door path="/book" name={say('front.book')} words={say('front.book_says')} address={place.address} />
      </ul>
      <h2>{say('front.stations')}</h2>
      <p class="quiet">{say('front.station_says')}</p>
      <ul class="doors">
        {place.stations.map((station) => (
          <Door
            key={station.id}
            path={`/station/${encodeURIComponent(station.id)}`}
            name={station.name}
            words=""
            address={place.address}
            colour={colourOf(station.id, place.stations).fill}
          />
        ))}
      </ul>
      <section class="cautions">
        <h2>{say('front.cautions')}</h2>
        <p>{say('front.cautions_says')}</p>
        <ul>
          {place.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </section>
    </main>
  );
}

interface DoorProps {
  path: string;
  name: string;
  words: string;
  address: string;
  colour?: string;
}

/** A screen: its name is the link for this device, its code the one for another. */
function Door({ path, name, words, address, colour }: DoorProps) {
  const there = `${address.replace(/\/$/, '')}${path}`;
  return (
    <li>
      <a href={path}>
        <img
          src={`/api/qr?path=${encodeURIComponent(path)}`}
          alt={say('front.qr_of', { address: there })}
          width="132"
          height="132"
        />
        <span class="door-words">
          <b>
            {colour !== undefined && <span class="swatch" style={{ background: colour }} />}
            {name}
          </b>
          {words !== '' && <span>{words}</span>}
          <span class="quiet address">{breakable(there)}</span>
        </span>
      </a>
    </li>
  );
}

/** An address that breaks after its slashes; http needs no saying, browsers take it for granted. */
function breakable(address: string) {
  const parts = address.replace(/^http:\/\//, '').split('/');
  return parts.map((part, at) => (
    <>
      {at > 0 && '/'}
      {at > 0 && <wbr />}
      {part}
    </>
  ));
}
