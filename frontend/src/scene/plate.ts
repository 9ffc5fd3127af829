// Where the processor draws, a page that takes over a picture waits until it is done. So it is drawn
// on a plate aside, while the page goes on, and laid onto the canvas once it is finished.
import { SRGBColorSpace, WebGLRenderTarget, type WebGLRenderer } from "three";

export class Plate {
  private readonly gl: WebGLRenderer;
  private readonly target: WebGLRenderTarget;
  private width = 1;
  private height = 1;

  constructor(gl: WebGLRenderer) {
    this.gl = gl;
    this.target = new WebGLRenderTarget(1, 1, { depthBuffer: true, stencilBuffer: true, generateMipmaps: false });
    const { texture } = this.target;
    // Colours are written as the screen wants them, as they would be onto the canvas itself: the
    // renderer does so for what it believes to be a headset, into bytes that are not encoded again.
    texture.colorSpace = SRGBColorSpace;
    texture.internalFormat = "RGBA8";
    Object.assign(this.target, { isXRRenderTarget: true });
  }

  /** Draw on the plate from now on; sizes in pixels. */
  begin(width: number, height: number): void {
    [this.width, this.height] = [Math.max(1, Math.floor(width)), Math.max(1, Math.floor(height))];
    this.target.setSize(this.width, this.height);
    this.gl.setRenderTarget(this.target);
  }

  /** Lay what was drawn onto the canvas, which takes the plate's size. */
  lay(): void {
    const context = this.gl.getContext() as WebGL2RenderingContext;
    const made = (this.gl.properties.get(this.target) as { __webglFramebuffer?: WebGLFramebuffer }).__webglFramebuffer;
    if (!made || context.isContextLost()) return;
    const { canvas } = context;
    if (canvas.width !== this.width || canvas.height !== this.height) {
      this.gl.setPixelRatio(1);
      this.gl.setSize(this.width, this.height, false);
    }
    this.gl.setRenderTarget(null);
    this.gl.state.bindFramebuffer(context.READ_FRAMEBUFFER, made);
    this.gl.state.bindFramebuffer(context.DRAW_FRAMEBUFFER, null);
    context.blitFramebuffer(0, 0, this.width, this.height, 0, 0, this.width, this.height, context.COLOR_BUFFER_BIT, context.NEAREST);
    this.gl.state.bindFramebuffer(context.READ_FRAMEBUFFER, null);
  }

  dispose(): void {
    this.target.dispose();
  }
}
