export const card = {
  empty: "Nothing here yet",
};
