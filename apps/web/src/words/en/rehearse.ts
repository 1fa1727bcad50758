export const rehearse = {
  empty: "Nothing here yet",
};
