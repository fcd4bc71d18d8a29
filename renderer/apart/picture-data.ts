const MOST_BYTES = 20 << 20;

/** A file's bytes in base64; rejects where it is too large or cannot be read. */
export function fileBase64(file: Blob): Promise<string> {
  return new Promise((resolve, reject) => {
    if (file.size > MOST_BYTES) {
      reject(new Error("too large"));
      return;
    }
    const reader = new FileReader();
    reader.onload = () => {
      // "data:image/jpeg;base64,…"
      resolve((reader.result as string).replace(/^[^,]*,/, ""));
    };
    reader.onerror = () => reject(new Error("not readable"));
    reader.readAsDataURL(file);
  });
}

const QUALITY = 0.85;

/** What the video shows at the moment, as JPEG in base64. */
export async function frameBase64(video: HTMLVideoElement): Promise<string> {
  const canvas = document.createElement("canvas");
  canvas.width = video.videoWidth;
  canvas.height = video.videoHeight;
  canvas.getContext("2d")?.drawImage(video, 0, 0);
  const blob = await new Promise<Blob | null>((resolve) => {
    canvas.toBlob(resolve, "image/jpeg", QUALITY);
  });
  if (blob === null) throw new Error("no picture");
  return fileBase64(blob);
}
