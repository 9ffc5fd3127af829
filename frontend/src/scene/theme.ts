// Colours of the page: read from the host's custom properties, and again whenever they may change.
import { Color } from "three";

export interface Theme {
  dark: boolean;
  sheet: Color;
  ink: Color;
  quiet: Color;
  pen: Color;
  /** Font of the page, for the figures on the floor. */
  font: string;
}

export function readTheme(host: HTMLElement): Theme {
  const style = getComputedStyle(host);
  const colour = (name: string, other: string): Color => {
    const value = style.getPropertyValue(name).trim();
    return new Color().setStyle(/^#[0-9a-f]{6}$|^rgb/i.test(value) ? value : other);
  };
  const sheet = colour("--sheet", "#fbfbf8");
  const luminance = 0.2126 * sheet.r + 0.7152 * sheet.g + 0.0722 * sheet.b;
  const dark = luminance < 0.2;
  return {
    dark,
    sheet,
    ink: colour("--ink", dark ? "#ecece8" : "#1b1c22"),
    quiet: colour("--quiet", dark ? "#a9abb6" : "#585a65"),
    pen: colour("--pen", dark ? "#a3aeff" : "#2f3aa8"),
    font: style.getPropertyValue("--text").trim() || "sans-serif",
  };
}

/** Calls back when the page may look different: its theme attribute or the system's wish. */
export function watchTheme(changed: () => void): () => void {
  const wish = matchMedia("(prefers-color-scheme: dark)");
  wish.addEventListener("change", changed);
  const eye = new MutationObserver(changed);
  const filter = { attributes: true, attributeFilter: ["data-theme", "class", "style"] };
  eye.observe(document.documentElement, filter);
  return () => {
    wish.removeEventListener("change", changed);
    eye.disconnect();
  };
}

export const stillWanted = (): boolean => matchMedia("(prefers-reduced-motion: reduce)").matches;
