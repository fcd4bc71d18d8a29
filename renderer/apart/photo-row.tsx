import { useRef, useState } from "react";
import type { ReactNode } from "react";
import { useBench, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { useAnswer } from "../store/use-answer.js";
import { Camera } from "./camera.js";
import { fileBase64 } from "./picture-data.js";

interface Props {
  readonly job: string;
  /** The part taken off that the photos show. */
  readonly of: { readonly step: string; readonly item: number };
  readonly caption: string;
  readonly photos: readonly string[];
  readonly children?: ReactNode;
}

/** The photos of one thing, and two ways to add one: the camera, only when asked for, or a file. */
export function PhotoRow({ job, of, caption, photos, children }: Props) {
  const { client, store } = useBench();
  const act = useAction();
  const can = useCan("addPhoto");
  const input = useRef<HTMLInputElement>(null);
  const [camera, setCamera] = useState(false);
  const add = (data: string): void => {
    act(client.call("addPhoto", { job, data, caption, moment: "at-work", of }));
  };
  const fromFile = (file: File | undefined): void => {
    if (!file) return;
    fileBase64(file).then(add, () => store.trouble(notReadable(file.name)));
  };
  return (
    <div className="photo-row">
      {photos.map((file) => (
        <Photo key={file} job={job} file={file} caption={caption} />
      ))}
      {can && (
        <>
          <button className="button small" type="button" onClick={() => setCamera(true)}>
            Take a photo
          </button>
          <button className="button small" type="button" onClick={() => input.current?.click()}>
            Photo from a file
          </button>
          <input
            ref={input}
            className="unseen"
            type="file"
            tabIndex={-1}
            aria-label={`Photo of: ${caption}`}
            accept="image/jpeg,image/png"
            onChange={(event) => {
              fromFile(event.target.files?.[0]);
              event.target.value = "";
            }}
          />
        </>
      )}
      {children}
      {camera && <Camera caption={caption} onPicture={add} onClose={() => setCamera(false)} />}
    </div>
  );
}

function notReadable(name: string) {
  return {
    code: "input/photo",
    what: `The file ${name} cannot be read, or is larger than 20 MB.`,
    action: "Choose a smaller photo in JPEG or PNG.",
  };
}

interface PhotoProps {
  readonly job: string;
  readonly file: string;
  readonly caption: string;
}

/** Small in its row; large when it is clicked. */
function Photo({ job, file, caption }: PhotoProps) {
  const answer = useAnswer("readPhoto", { job, file });
  const dialog = useRef<HTMLDialogElement>(null);
  if (answer === null) return null;
  return (
    <>
      <button
        className="photo"
        type="button"
        data-testid="photo"
        onClick={() => dialog.current?.showModal()}
      >
        <img src={answer.address} alt={`Photo: ${caption}`} />
      </button>
      <dialog ref={dialog} className="photo-large" aria-label={`Photo: ${caption}`}>
        <img src={answer.address} alt={caption} />
        <button className="button" type="button" onClick={() => dialog.current?.close()}>
          Close
        </button>
      </dialog>
    </>
  );
}
