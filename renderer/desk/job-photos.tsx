import { useState } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useBench, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { useAnswer } from "../store/use-answer.js";
import { SelectField } from "./field.js";
import { PhotoFields } from "./photo-fields.js";
import { fileBase64 } from "../apart/picture-data.js";
import { isWordless, MOMENTS } from "./photo-file.js";
import type { ChosenPhoto, Moment } from "./photo-file.js";

type Photo = CallResult<"readJob">["photos"][number];

interface Props {
  readonly job: string;
  readonly photos: readonly Photo[];
  readonly onAdded: () => void;
}

export function JobPhotos({ job, photos, onAdded }: Props) {
  const canAdd = useCan("addPhoto");
  return (
    <section className="form" aria-label="Photos">
      <h2>Photos</h2>
      {photos.length > 0 && (
        <div className="photos">
          {photos.map((photo) => (
            <PhotoFigure key={`${photo.file}-${photo.moment}`} job={job} photo={photo} />
          ))}
        </div>
      )}
      {canAdd && <AddPhotos job={job} onAdded={onAdded} />}
    </section>
  );
}

function PhotoFigure({ job, photo }: { readonly job: string; readonly photo: Photo }) {
  const answer = useAnswer("readPhoto", { job, file: photo.file });
  const moment = MOMENTS.find(([id]) => id === photo.moment)?.[1] ?? "";
  return (
    <figure data-testid="photo">
      {answer && <img src={answer.address} alt={photo.caption} />}
      <figcaption>
        {photo.caption} <span className="small">{moment}</span>
      </figcaption>
    </figure>
  );
}

function AddPhotos({ job, onAdded }: Pick<Props, "job" | "onAdded">) {
  const { client } = useBench();
  const act = useAction();
  const [chosen, setChosen] = useState<readonly ChosenPhoto[]>([]);
  const [moment, setMoment] = useState<Moment>("at-work");
  const [busy, setBusy] = useState(false);
  const add = async (): Promise<void> => {
    for (const { file, caption } of chosen) {
      const data = await fileBase64(file);
      await client.call("addPhoto", { job, data, caption: caption.trim(), moment, of: null });
    }
    setChosen([]);
    onAdded();
  };
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        setBusy(true);
        act(add().finally(() => setBusy(false)));
      }}
    >
      <PhotoFields label="Add photos (JPEG or PNG)" photos={chosen} onChange={setChosen} />
      {chosen.length > 0 && (
        <div className="with-button">
          <SelectField
            label="When"
            value={moment}
            options={MOMENTS}
            onChange={(value) => setMoment(MOMENTS.find(([id]) => id === value)?.[0] ?? "at-work")}
          />
          <button className="button" type="submit" disabled={busy || chosen.some(isWordless)}>
            {busy ? "Adding" : "Add to the job"}
          </button>
        </div>
      )}
    </form>
  );
}
