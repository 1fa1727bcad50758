export const measure = {
  empty: "Nothing here yet",
};
