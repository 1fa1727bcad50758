export const frames = {
  empty: "Nothing here yet",
};
