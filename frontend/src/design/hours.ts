// Where the hours go: rendered by the desk, fetched anew after a change while it stands open.
export class HoursBox {
  private version: string;

  constructor(private readonly box: HTMLDetailsElement, private readonly job: string) {
    this.version = box.dataset["version"] ?? "";
    box.addEventListener("toggle", () => void this.tell());
  }

  heard(version: number): void {
    this.box.dataset["version"] = String(version);
    void this.tell();
  }

  private async tell(): Promise<void> {
    const wanted = this.box.dataset["version"] ?? "";
    if (!this.box.open || wanted === this.version) return;
    const answer = await fetch(`/jobs/${this.job}/hours`).catch(() => null);
    if (!answer?.ok || wanted !== this.box.dataset["version"]) return;
    const told = this.box.querySelector("#hours-told");
    if (told) told.innerHTML = await answer.text();
    this.version = wanted;
  }
}
