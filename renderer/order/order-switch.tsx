import { useBench, useBenchSlice, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { ORDER_WORDS } from "./order-words.js";

/** The order of the run, changed at any time; what was measured stays. */
export function OrderSwitch() {
  const { client } = useBench();
  const act = useAction();
  const can = useCan("setOrder");
  const now = useBenchSlice((state) => state.order);
  if (!can) return null;
  return (
    <fieldset className="order-switch" data-testid="order-switch">
      <legend>Order</legend>
      {ORDER_WORDS.map(({ order, title, note }) => (
        <label key={order} title={note}>
          <input
            type="radio"
            name="order"
            checked={now === order}
            onChange={() => act(client.call("setOrder", { order }))}
          />
          <span>{title}</span>
        </label>
      ))}
    </fieldset>
  );
}
