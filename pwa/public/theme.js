// Runs before the first paint, so that a night screen never flashes white.
try {
  const theme = localStorage.getItem("theme");
  if (theme === "bright" || theme === "night") document.documentElement.dataset.theme = theme;
} catch {
  // Storage refused: the device's own setting decides.
}
