// Bar codes by the phone's camera: a photograph is read in the browser and never leaves it.
import { prepareZXingModule, readBarcodes } from "zxing-wasm/reader";

const form = document.querySelector<HTMLFormElement>("#by-code");
const field = document.querySelector<HTMLInputElement>("#code");
const photo = document.querySelector<HTMLInputElement>("#photo");
const told = document.querySelector<HTMLElement>("#scan-said");
const reader = document.querySelector<HTMLElement>("[data-reader]")?.dataset.reader;

if (form && field && photo && told && reader) {
  photo.closest<HTMLElement>("[hidden]")?.removeAttribute("hidden");
  prepareZXingModule({ overrides: { locateFile: () => reader } });
  photo.addEventListener("change", async () => {
    const picture = photo.files?.[0];
    if (!picture) return;
    told.textContent = told.dataset.reading ?? "";
    try {
      const found = await readBarcodes(picture, { formats: ["EAN-13", "EAN-8", "UPC-A", "UPC-E"], tryHarder: true });
      const code = found.find((one) => one.isValid)?.text;
      if (code === undefined) {
        told.textContent = told.dataset.none ?? "";
        return;
      }
      field.value = code;
      form.requestSubmit();
    } catch {
      told.textContent = told.dataset.none ?? "";
    }
  });
}
