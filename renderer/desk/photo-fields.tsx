import { TextField } from "./field.js";
import type { ChosenPhoto } from "./photo-file.js";

interface Props {
  readonly label: string;
  readonly photos: readonly ChosenPhoto[];
  readonly onChange: (photos: readonly ChosenPhoto[]) => void;
}

/** Photos to be added, each with the words for those who cannot see it. */
export function PhotoFields({ label, photos, onChange }: Props) {
  const choose = (files: FileList | null): void => {
    const chosen = [...(files ?? [])].map((file) => ({ file, caption: "" }));
    onChange([...photos, ...chosen]);
  };
  return (
    <div className="form">
      <label className="field">
        <span className="label">{label}</span>
        <input
          type="file"
          accept="image/jpeg,image/png"
          multiple
          data-testid="photo-input"
          onChange={(event) => {
            choose(event.target.files);
            event.target.value = "";
          }}
        />
      </label>
      {photos.map((photo, at) => (
        <div className="with-button" key={`${photo.file.name}-${at}`}>
          <TextField
            label={`What ${photo.file.name} shows`}
            name={`caption-${at}`}
            value={photo.caption}
            onChange={(caption) =>
              onChange(photos.map((old, other) => (other === at ? { ...old, caption } : old)))
            }
          />
          <button
            className="button"
            type="button"
            onClick={() => onChange(photos.filter((_, other) => other !== at))}
          >
            Leave it out
          </button>
        </div>
      ))}
    </div>
  );
}
