// Papers are looked at in the page; each is fetched only when it is opened.
document.addEventListener(
  "toggle",
  (event) => {
    const box = event.target as HTMLDetailsElement;
    if (!box.matches?.("details.preview") || !box.open || box.dataset["done"]) return;
    box.dataset["done"] = "yes";
    const address = box.dataset["src"] ?? "";
    const label = box.dataset["label"] ?? "";
    if (box.dataset["kind"] === "picture") {
      const image = document.createElement("img");
      image.src = address;
      image.alt = label;
      box.append(image);
    } else {
      const frame = document.createElement("iframe");
      frame.src = address;
      frame.title = label;
      box.append(frame);
    }
  },
  true,
);
