export const series = {
  empty: "Nothing here yet",
};
