// Move a price and see the margin: money in whole cents, the cost as the desk reckoned it.
import { locale, t } from "./words";

for (const box of document.querySelectorAll<HTMLElement>("details.margin")) {
  const tool = box.querySelector<HTMLElement>(".try-price");
  const [price, cost] = [cents(box.dataset["price"]), cents(box.dataset["cost"])];
  if (!tool || price === null || cost === null || price === 0) continue;
  const currency = box.dataset["currency"] ?? "USD";
  const net = (cents(box.dataset["net"]) ?? price) / price; // what tax leaves of a price
  const floor = Number(box.dataset["floor"] ?? "0");
  const byHand = box.parentElement?.querySelector<HTMLInputElement>("input[name=package_price]");
  const label = document.createElement("label");
  label.append(t("What if the price were"), " ");
  const slider = document.createElement("input");
  slider.type = "range";
  slider.min = String(Math.floor((cost * 0.8) / 500) * 500);
  slider.max = String(Math.ceil((Math.max(price, cost) * 1.6) / 500) * 500);
  slider.step = "500";
  slider.value = String(price);
  label.append(slider);
  const out = document.createElement("output");
  const show = (asked: number): void => {
    const left = asked * net - cost;
    const share = asked ? left / (asked * net) : 0;
    const values = {
      price: money(asked, currency),
      left: money(left, currency),
      share: Math.round(100 * share),
      floor: Math.round(100 * floor),
    };
    out.textContent =
      share < floor
        ? t("{price}: {left} left, {share} %, below your floor of {floor} %", values)
        : t("{price}: {left} left, {share} %", values);
    out.classList.toggle("bad", share < floor);
    slider.setAttribute("aria-valuetext", out.textContent);
  };
  slider.addEventListener("input", () => {
    show(Number(slider.value));
    if (byHand) byHand.value = (Number(slider.value) / 100).toFixed(2);
  });
  byHand?.addEventListener("input", () => {
    const asked = cents(byHand.value.replace(",", "."));
    show(asked ?? price);
    if (asked !== null) slider.value = String(asked);
  });
  show(price);
  tool.append(label, out);
  tool.hidden = false;
}

// The price of one piece by hand: what it leaves is said while one types.
for (const form of document.querySelectorAll<HTMLFormElement>(".piece-prices form")) {
  const input = form.querySelector<HTMLInputElement>("input[name=price]");
  const out = form.querySelector("output");
  const [price, net, cost] = ["price", "net", "cost"].map((key) => cents(form.dataset[key]));
  if (!input || !out || !price || net == null || cost == null) continue;
  const floor = Number(form.dataset["floor"] ?? "0");
  const currency = form.dataset["currency"] ?? "USD";
  input.addEventListener("input", () => {
    const asked = input.value.trim() ? cents(input.value.trim().replace(",", ".")) : price;
    if (asked === null) return; // what is no amount is told when it is saved
    const left = (asked * net) / price - cost;
    const share = asked ? (left * price) / (asked * net) : 0;
    const values = { left: money(left, currency), share: Math.round(100 * share), floor: Math.round(100 * floor) };
    out.textContent =
      share < floor ? t("{left} left, {share} %, below your floor of {floor} %", values) : t("{left} left, {share} %", values);
    out.classList.toggle("bad", share < floor);
  });
}

function cents(text: string | undefined): number | null {
  const match = /^(\d+)(?:\.(\d{1,2}))?/.exec(text ?? "");
  return match ? Number(match[1]) * 100 + Number((match[2] ?? "").padEnd(2, "0")) : null;
}

function money(amount: number, currency: string): string {
  return new Intl.NumberFormat(locale, { style: "currency", currency }).format(amount / 100);
}
