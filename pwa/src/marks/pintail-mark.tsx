/** The app's own mark: a pin and its clip, as in public/icon.svg. */
export function PintailMark() {
  return (
    <svg class="mark" viewBox="0 0 24 24" width="28" height="28" aria-hidden="true" focusable="false">
      <path d="M3 7.5v9M3 12h15M15.5 5.5v13a6 6.5 0 0 0 0-13z" />
    </svg>
  );
}
