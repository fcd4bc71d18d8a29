import { useEffect, useRef, useState } from "react";
import { frameBase64 } from "./picture-data.js";

interface Props {
  readonly caption: string;
  readonly onPicture: (data: string) => void;
  readonly onClose: () => void;
}

/** The camera, on only while this is open. */
export function Camera({ caption, onPicture, onClose }: Props) {
  const dialog = useRef<HTMLDialogElement>(null);
  const video = useRef<HTMLVideoElement>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const [ready, setReady] = useState(false);
  useEffect(() => {
    dialog.current?.showModal();
    return openCamera(video, setTrouble);
  }, []);
  const take = (): void => {
    if (video.current === null) return;
    frameBase64(video.current).then(
      (data) => {
        onPicture(data);
        dialog.current?.close();
      },
      () => setTrouble("The camera gave no picture. Try again, or add a file."),
    );
  };
  return (
    <dialog
      ref={dialog}
      className="camera"
      aria-label={`Photo of: ${caption}`}
      data-testid="camera"
      onClose={onClose}
    >
      <h2>{caption}</h2>
      {trouble === null ? (
        <video ref={video} muted playsInline autoPlay onLoadedData={() => setReady(true)} />
      ) : (
        <p role="alert">{trouble}</p>
      )}
      <div className="choices">
        <button
          className="button"
          data-kind="main"
          type="button"
          disabled={!ready || trouble !== null}
          onClick={take}
        >
          Take it
        </button>
        <button className="button" type="button" onClick={() => dialog.current?.close()}>
          Close the camera
        </button>
      </div>
    </dialog>
  );
}

/** Returns what switches it off again. */
function openCamera(
  video: React.RefObject<HTMLVideoElement | null>,
  onTrouble: (words: string) => void,
): () => void {
  let wanted = true;
  let stream: MediaStream | null = null;
  const stop = () => stream?.getTracks().forEach((track) => track.stop());
  const devices = navigator.mediaDevices as MediaDevices | undefined;
  const asked = devices?.getUserMedia({ video: { width: { ideal: 1920 } }, audio: false });
  if (!asked) onTrouble("This window has no way to a camera. Add a file instead.");
  asked?.then(
    (opened) => {
      stream = opened;
      if (!wanted || video.current === null) stop();
      else video.current.srcObject = opened;
    },
    (thrown: unknown) => onTrouble(refusedWords(thrown)),
  );
  return () => {
    wanted = false;
    stop();
  };
}

function refusedWords(thrown: unknown): string {
  const name = thrown instanceof DOMException ? thrown.name : "";
  if (name === "NotFoundError") return "There is no camera on this computer. Add a file instead.";
  if (name === "NotAllowedError")
    return "The camera may not be used here. Allow it for this window, or add a file instead.";
  return "The camera cannot be opened; another program may have it. Add a file instead.";
}
