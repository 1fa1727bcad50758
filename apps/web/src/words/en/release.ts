export const release = {
  empty: "Nothing here yet",
};
