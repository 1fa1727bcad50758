export const today = {
  empty: "Nothing here yet",
};
