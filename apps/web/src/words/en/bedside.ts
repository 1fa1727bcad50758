export const bedside = {
  empty: "Nothing here yet",
};
