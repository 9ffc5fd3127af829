// Move a price and see the margin: money in whole cents, the cost as the desk reckoned it.
for (const box of document.querySelectorAll<HTMLElement>("details.margin")) {
  const tool = box.querySelector<HTMLElement>(".try-price");
  const [price, cost] = [cents(box.dataset["price"]), cents(box.dataset["cost"])];
  if (!tool || price === null || cost === null) continue;
  const currency = box.dataset["currency"] ?? "USD";
  const label = document.createElement("label");
  label.append("What if the price were ");
  const slider = document.createElement("input");
  slider.type = "range";
  slider.min = String(Math.floor(cost * 0.8 / 500) * 500);
  slider.max = String(Math.ceil(price * 1.6 / 500) * 500);
  slider.step = "500";
  slider.value = String(price);
  label.append(slider);
  const out = document.createElement("output");
  const show = (): void => {
    const asked = Number(slider.value);
    const left = asked - cost;
    out.textContent = `${money(asked, currency)}: ${money(left, currency)} left, ${asked ? Math.round((100 * left) / asked) : 0} %`;
    slider.setAttribute("aria-valuetext", out.textContent);
  };
  slider.addEventListener("input", show);
  show();
  tool.append(label, out);
  tool.hidden = false;
}

function cents(text: string | undefined): number | null {
  const match = /^(\d+)(?:\.(\d{1,2}))?/.exec(text ?? "");
  return match ? Number(match[1]) * 100 + Number((match[2] ?? "").padEnd(2, "0")) : null;
}

function money(amount: number, currency: string): string {
  return new Intl.NumberFormat("en-US", { style: "currency", currency }).format(amount / 100);
}
